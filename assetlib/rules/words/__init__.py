"""Tags, names, spelling and the thesaurus.

Text in, words out.
"""
