"""The ground: soils by hand, anchors, bedding, bearing, frost."""
