"""Git trees: which content lies under which path, and a tree with some paths changed."""

from __future__ import annotations

import stat
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dulwich.object_store import BaseObjectStore
    from dulwich.objects import ObjectID, ShaFile, Tree

FILE_MODE = 0o100644
FOLDER_MODE = stat.S_IFDIR


def files_in(
    store: BaseObjectStore, tree_id: ObjectID | None, prefix: str = ""
) -> Iterator[tuple[str, ObjectID]]:
    """Each file of a tree with its path (forward slashes) and the id of its content."""
    if tree_id is None:
        return
    for entry in _tree(store, tree_id).iteritems():
        path = f"{prefix}{entry.path.decode()}"
        if stat.S_ISDIR(entry.mode):
            yield from files_in(store, entry.sha, f"{path}/")
        else:
            yield path, entry.sha


def find_file(store: BaseObjectStore, tree_id: ObjectID, path: str) -> ObjectID | None:
    """The id of the content under a path; None where there is no such file."""
    found = tree_id
    for part in path.split("/"):
        tree = store[found]
        name = part.encode()
        if tree.type_name != b"tree" or name not in _tree(store, found):
            return None
        found = _tree(store, found)[name][1]
    return found if store[found].type_name == b"blob" else None


def changed_tree(
    store: BaseObjectStore,
    tree_id: ObjectID | None,
    changes: Mapping[str, ObjectID | None],
    made: list[ShaFile],
) -> ObjectID | None:
    """The id of a tree like another with other content under some paths.

    Args:
        store: Where the other tree is kept.
        tree_id: The other tree; None: an empty one.
        changes: Id of the new content by path; None takes the path away.
        made: Gets every new tree object; they are not kept yet.

    Returns:
        The new tree's id; None where it is empty.
    """
    from dulwich.objects import Tree

    tree = Tree()
    for entry in _tree(store, tree_id).iteritems() if tree_id else ():
        tree.add(entry.path, entry.mode, entry.sha)
    below: dict[str, dict[str, ObjectID | None]] = {}
    for path, content in changes.items():
        head, _, rest = path.partition("/")
        if rest:
            below.setdefault(head, {})[rest] = content
        else:
            _put(tree, head.encode(), FILE_MODE, content)
    for head, inner in below.items():
        name = head.encode()
        is_folder = name in tree and stat.S_ISDIR(tree[name][0])
        old = tree[name][1] if is_folder else None
        _put(tree, name, FOLDER_MODE, changed_tree(store, old, inner, made))
    if not len(tree):
        return None
    made.append(tree)
    return tree.id


def _put(tree: Tree, name: bytes, mode: int, content: ObjectID | None) -> None:
    if name in tree:
        del tree[name]
    if content is not None:
        tree.add(name, mode, content)


def _tree(store: BaseObjectStore, tree_id: ObjectID) -> Tree:
    from dulwich.objects import Tree

    found = store[tree_id]
    if not isinstance(found, Tree):
        raise TypeError(f"{tree_id.decode()} is no tree")
    return found
