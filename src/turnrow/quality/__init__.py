"""What a lot is: figures held against limits, maturity by each scheme's own words, samples due, release."""
