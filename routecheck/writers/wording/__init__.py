"""What all outputs say in the same words: names, lengths, sums, places, plain records."""
