"""The command line: the only room that prints, handles signals and sets exit codes.

matplotlib, SciPy, jinja2 and networkx are imported where they are used: half of every start went into them
(3.7 s of CPU time before 0.4.0, 1.6 s then). But never inside a bound on threads: libraries that come later
escape it.
"""
