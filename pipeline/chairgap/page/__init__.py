"""The page of a study: one HTML file that holds everything and asks the network for nothing.

A policy in the file forbids the network (Content-Security-Policy). 3D is drawn by three (MIT, from npm), a
general library, bundled once by tests/packaging/bundle_libraries.py, with a view of our own
(`assets/view.js`). Rejected: links to a server (no network in an exam room), a picture for each conformer
(size). What a section needs besides its words lies deflated in the page and is read when asked for, by
fflate and at once: the browser's own DecompressionStream answers after a page has been printed. The answer
stands first: the table needs no scrolling until all columns are asked for, and is a card for each molecule
on a phone. The slider carries the program's
own formulas over to JavaScript, and a browser test holds both together. Above 40 molecules sections are
packed too and open when asked for; above 1000 there are none, and the page holds counts, the plot and the
largest disagreements. Colours never stand alone: axial bonds are thicker and marked a, equatorial ones e.
Every picture has its words for screen readers.
"""
