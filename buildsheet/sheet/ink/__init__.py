"""Primitives as files, with no decision left: ``pdf`` and ``svg``."""
