"""The pages of the kit: machines, moulds, fridges, probes, and what was seen on them."""
