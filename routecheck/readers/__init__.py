"""Files in: one file a format. A reader states what a file says and judges nothing."""
