"""The book's schema, step by step. Steps are numbered and only ever added, never changed."""
