"""The questions a maker asks, one module each: science composed into a verdict, a reason and a remedy."""
