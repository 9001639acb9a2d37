"""The week at the kitchen table: in a browser, planned again as it is touched.

It serves one person on this machine. What it shows is an answer that the commands give too; what it
changes is an edit of the week file, to the letter as `mend` edits it. A part of the page is a file
in `parts/` and a template.
"""
