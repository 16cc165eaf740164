"""Hostile input: coverage-guided fuzzing of our own readers, and mutated chart files."""
