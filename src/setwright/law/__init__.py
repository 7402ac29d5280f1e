"""Law packs: rules as data, answered meets / breaks / cannot tell."""
