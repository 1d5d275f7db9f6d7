"""A result as a document for a design file: records first, then HTML, PDF and workbook.

To add a section: write a function in `sections/` that takes a `Pen` and yields blocks of
`model`, and name it in `gather.gather`. Nothing here computes: numbers come from the dossier
that `studies` has solved, each with its place in the JSON.
"""
