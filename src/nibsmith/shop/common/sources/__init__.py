"""Where figures and rules are from, in words: the sources behind an answer, and all of them on a page."""
