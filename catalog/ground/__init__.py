"""What all rooms stand on: bases of records, the frame of a write, roles, sight, refusals, numbers, search, pages. No trade.

Records: Collection, Paper, Counter, Answered, Job, SearchEntry, SearchWord, SearchPart, SearchLink.
Words: register (the machine of it: numbers), paper, number.
Next door: people, who do the acts.
"""
