"""The pages of the batches: parse, call one service or selector, render."""
