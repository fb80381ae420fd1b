REM The steps of an edit, one procedure a step, as a user takes them at the screen.

Private Function Area(book, sheet, cells)
    Area = book.Sheets.getByName(sheet).getCellRangeByName(cells)
End Function

REM A sheet on which cells can be moved: on a protected one LibreOffice would leave all as it is, and say nothing.
Private Function Bare(book, sheet)
    Bare = book.Sheets.getByName(sheet)
    Demand(Not Bare.isProtected())
End Function

REM Ends the job where a step did not do what it was to do: Basic's own statement for an error raises none here.
Private Sub Demand(done)
    Dim held(0)
    If Not done Then held(1) = "out of range"
End Sub

Sub Unprotect(book, sheet)
    book.Sheets.getByName(sheet).unprotect("")
    Demand(Not book.Sheets.getByName(sheet).isProtected())
End Sub

Sub InsertRows(book, sheet, first, count)
    Bare(book, sheet).Rows.insertByIndex(first - 1, count)
End Sub

Sub DeleteRows(book, sheet, first, count)
    Bare(book, sheet).Rows.removeByIndex(first - 1, count)
End Sub

Sub InsertColumns(book, sheet, first, count)
    Bare(book, sheet).Columns.insertByIndex(first - 1, count)
End Sub

Sub DeleteColumns(book, sheet, first, count)
    Bare(book, sheet).Columns.removeByIndex(first - 1, count)
End Sub

Sub DeleteCells(book, sheet, cells, mode)
    Bare(book, sheet).removeRange(Area(book, sheet, cells).RangeAddress, mode)
End Sub

Sub RenameSheet(book, sheet, title)
    book.Sheets.getByName(sheet).Name = title
    Demand(book.Sheets.hasByName(title))
End Sub

Sub ReorderSheet(book, sheet, place)
    book.Sheets.moveByName(sheet, place)
End Sub

Sub CopySheet(book, sheet, title, place)
    book.Sheets.copyByName(sheet, title, place)
End Sub

Sub AddSheet(book, title, place)
    book.Sheets.insertNewByName(title, place)
End Sub

Sub DeleteSheet(book, sheet)
    book.Sheets.removeByName(sheet)
End Sub

Sub MoveCells(book, sheet, cells, onto, corner)
    Bare(book, sheet).moveRange(Area(book, onto, corner).CellAddress, Area(book, sheet, cells).RangeAddress)
End Sub

Sub CopyCells(book, sheet, cells, onto, corner)
    Bare(book, onto).copyRange(Area(book, onto, corner).CellAddress, Area(book, sheet, cells).RangeAddress)
End Sub

Sub SetNumber(book, sheet, cell, number)
    Area(book, sheet, cell).Value = number
    Demand(Area(book, sheet, cell).Type = com.sun.star.table.CellContentType.VALUE And Area(book, sheet, cell).Value = number)
End Sub

Sub SetText(book, sheet, cell, text)
    Area(book, sheet, cell).String = text
    Demand(Area(book, sheet, cell).Type = com.sun.star.table.CellContentType.TEXT And Area(book, sheet, cell).String = text)
End Sub

Sub SetFormula(book, sheet, cell, formula)
    Dim parser, target, before
    parser = book.createInstance("com.sun.star.sheet.FormulaParser")
    parser.CompileEnglish = True
    parser.FormulaConvention = com.sun.star.sheet.AddressConvention.XL_A1
    target = Area(book, sheet, cell)
    before = target.Formula
    target.setTokens(parser.parseFormula(Mid(formula, 2), target.CellAddress))
    Demand(target.Type = com.sun.star.table.CellContentType.FORMULA And target.Formula <> before)
End Sub

Sub PasteValue(book, sheet, cell)
    SetNumber(book, sheet, cell, Area(book, sheet, cell).Value)
End Sub

Sub ClearCells(book, sheet, cells)
    With com.sun.star.sheet.CellFlags
        Area(book, sheet, cells).clearContents(.VALUE + .DATETIME + .STRING + .FORMULA)
        Demand(Area(book, sheet, cells).queryContentCells(.VALUE + .DATETIME + .STRING + .FORMULA).Count = 0)
    End With
End Sub

Sub SortRows(book, sheet, cells, column, ascending)
    Dim fields(0) As New com.sun.star.table.TableSortField
    Dim order(1) As New com.sun.star.beans.PropertyValue
    fields(0).Field = column
    fields(0).IsAscending = ascending
    order(0).Name = "SortFields"
    order(0).Value = fields()
    order(1).Name = "ContainsHeader"
    order(1).Value = False
    Area(book, sheet, cells).sort(order())
End Sub

Sub AddComment(book, sheet, cell, text)
    book.Sheets.getByName(sheet).Annotations.insertNew(Area(book, sheet, cell).CellAddress, text)
    Demand(Area(book, sheet, cell).Annotation.String = text)
End Sub

Sub DeleteName(book, title)
    book.NamedRanges.removeByName(title)
End Sub

Sub CalculateAll(book)
    book.calculateAll()
End Sub

Function Opened(path)
    Dim how(0) As New com.sun.star.beans.PropertyValue
    how(0).Name = "Hidden"
    how(0).Value = True
    Opened = StarDesktop.loadComponentFromURL(ConvertToURL(path), "_blank", 0, how())
    Demand(Not IsNull(Opened))
End Function

Sub SaveAs(book, path, form)
    Dim how(0) As New com.sun.star.beans.PropertyValue
    how(0).Name = "FilterName"
    how(0).Value = form
    book.storeToURL(ConvertToURL(path), how())
End Sub

Sub Note(path, words)
    Dim number
    number = FreeFile
    Open path For Append As #number
    Print #number, words
    Close #number
End Sub
