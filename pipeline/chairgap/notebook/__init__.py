"""Results for notebooks and scripts: what `import chairgap` offers.

Public names are looked up lazily (`import chairgap` costs 0.02 s) and are never those of submodules, which
would hide them. They do what the commands do, through the same functions; nothing is printed and no signal
handled, so that they work in a thread.
"""
