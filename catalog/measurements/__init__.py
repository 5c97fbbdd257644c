"""What instruments and people measured: values that are never overwritten, each with its time, its state and how far it may be off.

Records: Instrument, Calibration, Measurement, BalanceReading.
Words: instrument, measurement, quantity, weighing.
"""
