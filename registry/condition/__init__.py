"""The state of things: what is barred, how they were found when examined, what broke, was damaged, is missing, was found again.

Records: Restriction, Examination, Finding, Incident, IncidentSubject, IncidentPhotograph, Breakage, BreakagePart,
FailedJoin, LooseLot.
Words: restriction, examination, finding, incident, breakage.
Next door: places below; accessions above.
"""
