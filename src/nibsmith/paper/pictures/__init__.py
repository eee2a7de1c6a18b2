"""The charts of the answers: what each shows, in which words. Drawn by ``nibsmith.paper.chart``."""
