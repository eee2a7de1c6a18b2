"""What is seen while working narrows what is foretold: observations of a kit, and its calibrations."""
