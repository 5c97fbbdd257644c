"""Pages of digs, lifts, bags, sites, permits and material lots."""
