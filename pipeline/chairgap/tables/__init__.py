"""The literature tables: their form, the shipped ones, and a user's own."""
