"""What is done at the stand: steps at stations, passes of readings, signatures, new issues of a sheet."""
