"""What is written of a ring flip."""
