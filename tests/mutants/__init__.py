"""Mutation testing: are the tests able to fail? `python -m tests.mutants.run` says how."""
