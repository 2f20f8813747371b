"""Making the shipped model, from public drawings to the files in `assetlib/vectors/models`.

Nothing at run time imports this package; it needs the extra `clip`, Node's `npm` and Debian's `openclipart-svg`
and `wordnet-base`. One command a stage: `python -m assetlib.vectors.training STAGE`.
"""
