"""The pages of recipes: each parses, calls one service or selector, and renders."""
