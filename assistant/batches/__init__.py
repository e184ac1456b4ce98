"""The account of batches: what happened, what is in every vessel because of it, and how it is doing.

Pure: events come in, batches come out. The book (SQLite) keeps the events.
"""
