"""Random machines that must never crash, hang, or reach outside what is fitted."""
