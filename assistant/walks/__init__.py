"""Walks: one thing to do after the other, with the amounts worked out for this batch.

A walk is data (one TOML file each); ``guide`` leads through it and lies over the talk: what is no word of the walk the
talk answers, and the walk goes on.
"""
