"""The language of the kitchen: plain phrases to a typed reading.

Nothing here knows the trade's arithmetic or keeps state, and nothing here
imports from ``assistant``.
"""
