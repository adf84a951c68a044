"""Opens a 3MF file with lib3mf and prints what it found there as JSON."""

import ctypes
import json
import sys

lib = ctypes.CDLL("lib3MF.so.1")


def call(name, *arguments):
    code = getattr(lib, name)(*arguments)
    if code != 0:
        raise SystemExit(f"{name} failed with {code & 0xFFFFFFFF:#x}")


def pointer(name, *arguments):
    result = ctypes.c_void_p()
    call(name, *arguments, ctypes.byref(result))
    return result


def number(name, *arguments):
    result = ctypes.c_uint32()
    call(name, *arguments, ctypes.byref(result))
    return result.value


def text(name, *arguments):
    needed = ctypes.c_uint32()
    call(name, *arguments, None, 0, ctypes.byref(needed))
    buffer = ctypes.create_string_buffer(needed.value + 1)
    call(name, *arguments, buffer, needed.value + 1, ctypes.byref(needed))
    return buffer.value.decode()


def items_of(iterator, kind):
    while number(f"lib3mf_{kind}_movenext", iterator):
        yield pointer(f"lib3mf_{kind}_getcurrent", iterator)


def volume(mesh, vertex_count, triangle_count):
    vertices = (ctypes.c_float * (3 * vertex_count))()
    triangles = (ctypes.c_uint32 * (3 * triangle_count))()
    call("lib3mf_meshobject_getvertices", mesh, vertices, vertex_count, None)
    call("lib3mf_meshobject_gettriangleindices", mesh, triangles, triangle_count, None)
    total = 0.0
    for t in range(0, 3 * triangle_count, 3):
        (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (
            vertices[3 * v : 3 * v + 3] for v in triangles[t : t + 3]
        )
        total += (
            ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
        )
    return total / 6


def read_object(mesh):
    vertex_count = number("lib3mf_meshobject_getvertexcount", mesh)
    triangle_count = number("lib3mf_meshobject_gettrianglecount", mesh)
    return {
        "id": number("lib3mf_resource_getresourceid", mesh),
        "name": text("lib3mf_object_getnameutf8", mesh),
        "type": number("lib3mf_object_gettype", mesh),
        "valid": bool(number("lib3mf_object_isvalidobject", mesh)),
        "manifold": bool(number("lib3mf_meshobject_ismanifoldandoriented", mesh)),
        "vertices": vertex_count,
        "triangles": triangle_count,
        "volume": volume(mesh, vertex_count, triangle_count),
    }


def read_item(item):
    fields = (ctypes.c_float * 12)()
    call("lib3mf_builditem_getobjecttransform", item, fields)
    return {
        "object": number("lib3mf_builditem_getobjectresourceid", item),
        "partnumber": text("lib3mf_builditem_getpartnumberutf8", item),
        "transform": list(fields),
    }


model = pointer("lib3mf_createmodel")
reader = ctypes.c_void_p()
call("lib3mf_model_queryreader", model, b"3mf", ctypes.byref(reader))
call("lib3mf_reader_setstrictmodeactive", reader, True)
call("lib3mf_reader_readfromfileutf8", reader, sys.argv[1].encode())
meshes = pointer("lib3mf_model_getmeshobjects", model)
build = pointer("lib3mf_model_getbuilditems", model)
json.dump(
    {
        "warnings": number("lib3mf_reader_getwarningcount", reader),
        "unit": number("lib3mf_model_getunit", model),
        "objects": [read_object(mesh) for mesh in items_of(meshes, "resourceiterator")],
        "items": [read_item(item) for item in items_of(build, "builditemiterator")],
    },
    sys.stdout,
)
