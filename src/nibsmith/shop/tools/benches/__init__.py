"""One module a tool: what it asks, and how what is typed becomes an answer with its picture."""
