"""What each type of claim means, a family of them in a file: whether it holds, the answer that follows from
it, what the key's diagram shows, and which facts of sentences it settles. `known_claims` puts them together.

Nothing here is shared with the kinds that claim, nor with the methods' code (but for what a method says,
which only the method can tell).
"""
