"""The register only grows, line after line; titles, accessions and checkpoints stay as written."""

from catalog.ground.guards import guard, never_changes, piece_of_its_cast, trigger

guard(
    never_changes("registry_ledgerline", "A line of the register is never changed. Write a correction that names it."),
    trigger(
        "registry_ledgerline",
        "registry_ledgerline_grows",
        "Register lines follow one another without a gap.",
        when="NEW.n <> (SELECT COALESCE(MAX(n), 0) + 1 FROM registry_ledgerline)",
        before="INSERT",
    ),
    never_changes("registry_title", "A state of title stays as written. Write the new one beside it."),
    never_changes("registry_accession", "An accession is never changed. The register is corrected by a new line."),
    never_changes("registry_checkpoint", "A checkpoint is never changed."),
    piece_of_its_cast("registry_marking"),
)
