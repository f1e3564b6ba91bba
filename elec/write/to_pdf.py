"""PDF for the binder and the bench: the book, or a section as a small one."""

from elec.pages.document import Book
from elec.write.register import Document, Options, small_book, writer


@writer(".pdf")
def to_pdf(document: Document, options: Options) -> bytes:
    """Write a book, or a section as a small book, as PDF."""
    from elec.write.pdf.book import book_pdf

    if isinstance(document, Book):
        return book_pdf(document)
    if document.form:
        from elec.write.pdf.form import form_pdf

        return form_pdf(document, options)
    return book_pdf(small_book(document, options))
