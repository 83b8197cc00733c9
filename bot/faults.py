"""What a log may say of a fault: its type and its place. What was raised may quote a message, or a secret."""

from __future__ import annotations


def where(error: BaseException) -> str:
    """The type, and the file and line that raised it."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    place = f"{trace.tb_frame.f_code.co_filename}:{trace.tb_lineno}" if trace else "nowhere"
    return f"{type(error).__name__} at {place}"
