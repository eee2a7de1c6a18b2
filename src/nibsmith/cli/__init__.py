"""The command line: read arguments, ask ``answers`` or the shop, print."""
