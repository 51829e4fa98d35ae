"""The widgets' style sheet, from the tokens."""

from workbook.app.look import Look, tokens

_SHEET = """
QWidget {{ color: {ink}; }}
QMainWindow, QMenuBar, #desk {{ background: {desk}; }}
#panel, #shelf, QScrollArea, #inner {{ background: {panel}; border: 0; }}
QMenuBar {{ padding: 2px 6px; }}
QMenuBar, QMenu, QToolTip {{ font-size: {body}px; }}
QMenuBar::item {{ padding: 4px 9px; background: transparent; }}
QMenuBar::item:selected {{ background: {hair}; }}
QMenu {{ background: {panel}; border: 1px solid {rim}; padding: 4px; }}
QMenu::item {{ padding: 4px 24px 4px 12px; }} QMenu::item:selected {{ background: {blue_wash}; }}
QMenu::separator {{ height: 1px; background: {hair}; margin: 4px 8px; }}
#header {{ background: {panel}; border-bottom: 1px solid {hair}; }}
#status {{ background: {desk}; border-top: 1px solid {hair}; }}
#strip {{ background: {panel}; border-bottom: 1px solid {hair}; }}
#foot {{ background: {panel}; border-top: 1px solid {hair}; }}
#card {{ background: {field}; border: 1px solid {rim}; }} #rule {{ background: {hair}; }}
#shelf {{ border-right: 1px solid {hair}; }} #panel {{ border-left: 1px solid {hair}; }}
QLabel {{ background: transparent; }} QLabel#soft {{ color: {soft}; }} QLabel#stop {{ color: {stop}; }}
QLineEdit, QComboBox {{ background: {field}; border: 1px solid {rim}; border-radius: {r}px; padding: 0 8px;
  selection-background-color: {dye}; selection-color: {on_dye}; }}
QLineEdit:focus, QComboBox:focus {{ border: 2px solid {blue}; padding: 0 7px; }}
QLineEdit[wrong="true"] {{ border: 2px solid {stop}; padding: 0 7px; }}
QAbstractSpinBox[wrong="true"] {{ color: {stop}; }}
QComboBox::drop-down {{ border: 0; width: 18px; }}
QComboBox QAbstractItemView {{ background: {panel}; selection-background-color: {blue_wash}; selection-color: {ink}; }}
QPushButton {{ background: {field}; border: 1px solid {rim}; border-radius: {r}px; padding: 0 12px; }}
QPushButton:hover {{ background: {hair}; }} QPushButton:focus {{ border: 2px solid {blue}; }}
QPushButton:disabled {{ color: {soft}; border-style: dashed; }}
QPushButton#main {{ background: {dye}; color: {on_dye}; border: 1px solid {dye}; }}
QPushButton#main:focus {{ border: 2px solid {on_dye}; }}
QPushButton#main:disabled {{ background: {panel}; color: {soft}; border: 1px dashed {rim}; }}
QToolButton {{ border: 1px solid transparent; border-radius: {r}px; background: transparent; padding: 2px 7px; }}
QToolButton:hover {{ background: {hair}; }} QToolButton:focus {{ border: 1px dashed {blue}; }}
QToolButton:disabled {{ color: {soft}; }}
QToolButton:checked {{ background: {blue_wash}; border: 1px solid {blue}; color: {blue}; }}
QToolButton::menu-indicator {{ image: none; }}
QToolButton#rail {{ border: 0; border-radius: 0; padding: 4px 0; }} QToolButton#rail:focus {{ border: 2px solid {blue}; }}
QToolButton#rail:checked {{ background: {dye}; color: {on_dye}; border-right: 2px solid {on_dye}; }}
QLabel#sample-mark {{ background: {blue_wash}; color: {ink}; border-radius: 3px; padding: 3px 8px; }}
QDialog, QMessageBox {{ background: {panel}; }}
QListWidget#found, QListWidget#history, QListWidget#topics {{ background: {field}; border: 1px solid {hair}; }}
QListWidget#found::item, QListWidget#history::item, QListWidget#topics::item {{ padding: 3px 6px; }}
QListWidget#layout-orders::item, QListWidget#layout-bars::item {{ padding: 2px 0; }}
QListWidget#found::item:selected, QListWidget#history::item:selected, QListWidget#topics::item:selected {{
  background: {blue_wash}; color: {ink}; }}
QTextBrowser {{ background: {field}; border: 1px solid {hair}; }}
QTreeView {{ background: {panel}; border: 0; selection-background-color: {blue_wash}; selection-color: {ink}; }}
QTreeView::item {{ padding: 2px 4px; }}
QPushButton#figure {{ text-align: left; padding: 0; border: 0; border-bottom: 1px dotted {soft}; border-radius: 0;
  background: transparent; }}
QPushButton#figure:focus {{ border-bottom: 2px solid {blue}; }} QPushButton#figure:disabled {{ border: 0; color: {ink}; }}
QTableView {{ background: {panel}; border: 0; gridline-color: {hair}; selection-background-color: {blue_wash};
  selection-color: {ink}; }}
QHeaderView {{ background: {panel}; }}
QHeaderView::section {{ background: {panel}; color: {soft}; border: 0; border-bottom: 1px solid {hair};
  padding: 4px 6px; font-size: {small}px; }}
QListView {{ background: {panel}; border: 0; outline: 0; }}
QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 10px; margin: 0; }}
QScrollBar::handle {{ background: {rim}; border-radius: 4px; min-height: 30px; min-width: 30px; }}
QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page,
  QScrollBar::sub-page {{ background: transparent; width: 0; height: 0; }}
QToolTip {{ background: {field}; color: {ink}; border: 1px solid {rim}; padding: 3px; }}
QSplitter::handle {{ background: {hair}; }}
"""


def sheet(look: Look) -> str:
    """The style sheet of a look."""
    colours = {role: look.colour(role).name() for role in tokens()["colour"][look.theme]}
    sizes = {kind: look.px(size) for kind, size in tokens()["type"].items()}
    return _SHEET.format(r=tokens()["radius"]["field"], **colours, **sizes)
