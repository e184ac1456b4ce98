"""Walks."""
