"""Jobs: the paid assignments that drawings are brought in for and pasted into.

Uses are records.
"""
