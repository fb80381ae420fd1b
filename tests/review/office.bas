REM The steps of an edit, one procedure a step, as a user takes them at the screen.

Private Function Area(book, sheet, cells)
    Area = book.Sheets.getByName(sheet).getCellRangeByName(cells)
End Function

Sub Unprotect(book, sheet)
    book.Sheets.getByName(sheet).unprotect("")
End Sub

Sub Protect(book, sheet)
    book.Sheets.getByName(sheet).protect("")
End Sub

Sub InsertRows(book, sheet, first, count)
    book.Sheets.getByName(sheet).Rows.insertByIndex(first - 1, count)
End Sub

Sub DeleteRows(book, sheet, first, count)
    book.Sheets.getByName(sheet).Rows.removeByIndex(first - 1, count)
End Sub

Sub InsertColumns(book, sheet, first, count)
    book.Sheets.getByName(sheet).Columns.insertByIndex(first - 1, count)
End Sub

Sub DeleteColumns(book, sheet, first, count)
    book.Sheets.getByName(sheet).Columns.removeByIndex(first - 1, count)
End Sub

Sub InsertCells(book, sheet, cells, mode)
    book.Sheets.getByName(sheet).insertCells(Area(book, sheet, cells).RangeAddress, mode)
End Sub

Sub DeleteCells(book, sheet, cells, mode)
    book.Sheets.getByName(sheet).removeRange(Area(book, sheet, cells).RangeAddress, mode)
End Sub

Sub RenameSheet(book, sheet, title)
    book.Sheets.getByName(sheet).Name = title
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
    book.Sheets.getByName(sheet).moveRange(Area(book, onto, corner).getCellByPosition(0, 0).CellAddress, Area(book, sheet, cells).RangeAddress)
End Sub

Sub CopyCells(book, sheet, cells, onto, corner)
    book.Sheets.getByName(onto).copyRange(Area(book, onto, corner).getCellByPosition(0, 0).CellAddress, Area(book, sheet, cells).RangeAddress)
End Sub

Sub SetNumber(book, sheet, cell, number)
    Area(book, sheet, cell).Value = number
End Sub

Sub SetText(book, sheet, cell, text)
    Area(book, sheet, cell).String = text
End Sub

Sub SetFormula(book, sheet, cell, formula)
    Dim parser, target
    parser = book.createInstance("com.sun.star.sheet.FormulaParser")
    parser.CompileEnglish = True
    parser.FormulaConvention = com.sun.star.sheet.AddressConvention.XL_A1
    target = Area(book, sheet, cell)
    target.setTokens(parser.parseFormula(Mid(formula, 2), target.CellAddress))
End Sub

Sub PasteValue(book, sheet, cell)
    Area(book, sheet, cell).Value = Area(book, sheet, cell).Value
End Sub

Sub ClearCells(book, sheet, cells)
    With com.sun.star.sheet.CellFlags
        Area(book, sheet, cells).clearContents(.VALUE + .DATETIME + .STRING + .FORMULA)
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
