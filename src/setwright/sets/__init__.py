"""A rig at a site: the chain, its outcome, the gates and the advice."""
