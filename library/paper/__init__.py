"""What gets printed: plans, set-up sheets, lists, letters, labels.

One module a sheet, with one public function that takes a :class:`~library.paper.job.Job` and gives a
:class:`~library.paper.sheet.Sheet`; the table ``SHEETS`` of ``sheets`` lists them. A sheet is a value:
words, rules and drawings at millimetres on pages of a size. So a test can see where every word
stands, and one sheet becomes a PDF (``pdf``), a picture for the screen (``svg``) or rows (``tables``).

reportlab writes the PDF files. It installs by pip alone on Windows, macOS and Linux, embeds the part
of a TrueType font that is used together with the table that lets text be copied and read aloud, keeps
what is drawn in the order in which it is drawn, and writes title and language. We place every word
ourselves, so nothing of its page templates is used; only ``pdf`` and ``faces`` import it.
"""
