"""Report out: one file an output, each `to_x(report) -> str`."""
