"""Formulae: numbers or arrays in, numbers or arrays out, one source each."""
