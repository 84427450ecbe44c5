"""An appliance on paper: the bench sheet, as a page that a browser prints and as PDF.

- `content`   what stands on a sheet: texts and tables, as frozen values
- `grid`      a table on a sheet
- `finding`   what a reading may mean, the plan of tests, boxes for earth and insulation
- `limits`    the table of limits and ratings, and the sources behind it
- `safety`    whether it is good enough and safe: what to do, hazards drawn, findings
- `measure`   how wide text is in the sheet's own font, and where lines break
- `pages`     content to pages: the largest text with which it fits, and where tables are cut
- `markup`    pages as HTML, for the browser and the notebook
- `ink`       draws on a PDF page: text, lines, the schematic, and the tags for a screen reader
- `pdf`       pages as PDF
- `sheet`     the front door: `bench_sheet(appliance)`, `plan_sheet(appliance)`
- `files`     the sheet as files, for the command and the form
"""
