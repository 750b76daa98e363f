"""Battery, wire, thermistor, motor, drive waveform, refrigerant, air, cabin."""
