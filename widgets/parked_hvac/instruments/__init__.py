"""Meter, clamp, thermometer, battery tester, data-link reader, senses."""
