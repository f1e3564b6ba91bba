"""What currents do to a compass or magnetometer.

In: runs and solved currents. Out: fields at each sensor. Begin with `field`.
"""
