"""What visitors may read: the public page of a cast.

Records: PublicPage.
Words: visitor's page.
Next door: media below; the register's rooms above.
"""
