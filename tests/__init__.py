"""Tests; they mirror the rooms of the house."""
