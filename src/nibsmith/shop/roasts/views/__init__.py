"""The pages of the roasts: parse, call one service or selector, render."""
