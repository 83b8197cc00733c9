"""Reference data and words that the core and the bot both use, each with its source.

`reference/` holds the trade's tables (see SOURCES.md), `phrases/` the words that are heard,
`texts/` the words that are said, and `tables.py` loads and checks the files.
"""
