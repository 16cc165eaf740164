"""Nouns: frozen, keyword-only, finite, no input or output."""
