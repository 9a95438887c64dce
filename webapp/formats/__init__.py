"""THE FORMATS: plain values to text that other programs read, and back. Pure; the standard library only."""
