"""Tools of the bench that need no recipe: figures in, an answer with its picture out. Nothing is stored."""
