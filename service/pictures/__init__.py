"""Pictures of a machine and its boards, as SVG.

`telling` says in words what there is to see (`content`), `layout` gives everything its place
(`shapes`), `svg` draws it. What is drawn carries its meaning by shape, line and hatching and in words;
colour only adds to it. The layout, the marks and the colours are this project's own.
"""
