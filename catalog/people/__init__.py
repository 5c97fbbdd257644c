"""People and bodies that we deal with, their accounts and what each may do.

Records: Person, Contact, Account, Role, Leave, Token, Invitation, Link, Failure, Visit, KnownDevice.
Words: person, registrar, keeper, technician, preparator, reader.
Next door: ground below; taxa above.
"""
