"""The assistant: a dialogue over a rule-checked calculator."""

__version__ = "0.1.0"
