"""The maker's actions on the workbook, one module per subject: each builds an edit and changes nothing itself.

New ids come from the caller: this package generates nothing random.
"""
