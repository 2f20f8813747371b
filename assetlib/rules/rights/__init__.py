"""Rights: statements on origin become findings; licences and their texts.

No legal advice is given anywhere here.
"""
