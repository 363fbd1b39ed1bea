"""The answer-key room: what a symbolic claim should be, whether a key's claim is that, and if not, why.

A key's claim is answered first, read second: each quantity has one function that gives the answer with its
steps, and one that reads the claimed text. A claim that fails is tried again under every other named
convention, alone and in pairs, before it is called wrong; only then are slips recomputed, and all that match
are named, since they collide.
"""
