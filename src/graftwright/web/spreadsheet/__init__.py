"""From a spreadsheet: a workbook is read, questioned, and entered on the word of the person."""
