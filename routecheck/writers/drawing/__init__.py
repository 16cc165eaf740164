"""What the map and the brief draw in the same way: margin bands, marks, the depth profile."""
