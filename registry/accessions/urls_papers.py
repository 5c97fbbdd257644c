"""Addresses of papers given out, labels, markings, certificates, exits."""

from django.urls import path

from registry.accessions.pages import certificates, exits, given_out, labels, markings

PAGES = [
    path("papers/<str:number>.pdf", given_out.kept, name="paper"),
    path("entries/<str:number>/papers/receipt.pdf", given_out.receipt, name="entry-receipt"),
    path("exits/<str:number>/", exits.exit_page, name="exit"),
    path("exits/<str:number>/papers/exit-note.pdf", given_out.exit_note, name="exit-note"),
    path("casts/<str:number>/papers/acquisition-proposal.pdf", given_out.acquisition_proposal, name="proposal-paper"),
    path("casts/<str:number>/papers/transfer-of-title.pdf", given_out.transfer_of_title, name="transfer-of-title"),
    path("casts/<str:number>/papers/letter.pdf", given_out.letter, name="letter"),
    path("casts/<str:number>/markings/new/", markings.mark, name="mark"),
    path("casts/<str:number>/markings/<int:pk>/gone/", markings.gone, name="marking-gone"),
    path("markings/new/", markings.mark_these, name="mark-these"),
    path("register/papers/extract.pdf", given_out.extract, name="register-extract"),
    path("register/papers/page.pdf", given_out.register_page, name="register-page"),
    path("register/papers/old-numbers.pdf", given_out.old_numbers, name="old-numbers"),
    path("register/<int:line>/certificate/", certificates.certificate, name="certificate"),
    path("register/<int:line>/certificate.pdf", certificates.certificate_pdf, name="certificate-pdf"),
    path("register/<int:line>/certificate/<str:name>", certificates.proof_file, name="proof-file"),
    path("labels/", labels.labels, name="labels"),
    path("labels/labels.pdf", labels.labels_pdf, name="labels-pdf"),
    path("labels/test.pdf", labels.test_page, name="labels-test"),
    path("labels/label.png", labels.label_png, name="label-picture"),
    path("labels/sheet.png", labels.sheet_png, name="sheet-picture"),
]
