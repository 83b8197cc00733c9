"""The words of a PDF as a reader's program takes them out."""

from __future__ import annotations

import io

import pypdf


def pages(pdf: bytes) -> list[str]:
    """The text of each page, white space made single."""
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def words(pdf: bytes) -> str:
    """The text of all pages."""
    return " ".join(pages(pdf))
