"""What is told of a skyline: phrases, lengths, tiles, footprints, and the file that is written."""
