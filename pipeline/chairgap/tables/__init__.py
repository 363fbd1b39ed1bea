"""The literature tables: their form, the shipped ones, and a user's own.

Two decisions. A user's own interactions stand in a file beside the table (`course_interactions.csv` beside
`course.csv`) rather than under a further key of the study. Tables and studies are files of the repository
(`data/`, `configs/`) that the build copies into the wheel; the program looks beside itself first and then in
a checkout. Rejected: keeping them inside the package, where a chemist would not look for them.
"""
