"""Stage 1: what the corridor of each leg meets. Geometry only; it knows no boat and no clock."""
